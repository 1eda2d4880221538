using System.Collections;
using System.Reflection;

namespace Spoolwright.App.Tests.Storage;

/// <summary>
/// Makes records whose every property differs from its default and from its neighbours, and compares them property by property: what a
/// record gains later is
/// filled and compared without anybody remembering to.
/// </summary>
internal static class Filled
{
    /// <summary>A record of that type, made by its longest constructor, every settable property filled.</summary>
    public static T Of<T>(int salt = 1) => (T)Value(typeof(T), typeof(T).Name, salt);

    /// <summary>Names of properties that differ, lists compared element by element, such as <c>Parts[0].Name</c>.</summary>
    public static IEnumerable<string> Differences(object? put, object? got, string at = "")
    {
        if (put is null || got is null || put is string || put.GetType().IsPrimitive || put.GetType().IsEnum)
            return Equals(put, got) ? [] : [at];
        if (put is IEnumerable many)
        {
            var left = many.Cast<object>().ToList();
            var right = ((IEnumerable)got).Cast<object>().ToList();
            return left.Count != right.Count ? [at] : left.SelectMany((x, i) => Differences(x, right[i], $"{at}[{i}]"));
        }

        return Properties(put.GetType())
            .SelectMany(p => Differences(p.GetValue(put), p.GetValue(got), at.Length == 0 ? p.Name : $"{at}.{p.Name}"));
    }

    private static object Value(Type type, string name, int salt)
    {
        var seed = salt * 1000 + Math.Abs(name.Aggregate(7, (h, c) => (h * 31 + c) % 997));
        type = Nullable.GetUnderlyingType(type) ?? type;
        if (type == typeof(string))
            return $"{name} {salt}";
        if (type == typeof(double))
            return seed + 1.0 / 3;
        if (type == typeof(int))
            return seed;
        if (type == typeof(bool))
            return false; // every flag of a reading is true unless said otherwise
        if (type.IsEnum)
            return Enum.GetValues(type).Cast<object>().Last();
        if (type.IsGenericType && type.GetGenericTypeDefinition() == typeof(IReadOnlyList<>))
        {
            var element = type.GetGenericArguments()[0];
            var list = (IList)Activator.CreateInstance(typeof(List<>).MakeGenericType(element))!;
            list.Add(Value(element, name, salt));
            list.Add(Value(element, name, salt + 1));
            return list;
        }

        if (type.Namespace?.StartsWith("Spoolwright.", StringComparison.Ordinal) != true)
            throw new NotSupportedException(
                $"{name} is a {type.Name}, which this test cannot fill: teach it, and look whether the book stores it."
            );
        var constructor = type.GetConstructors().OrderByDescending(c => c.GetParameters().Length).First();
        var made = constructor.Invoke([.. constructor.GetParameters().Select(p => Value(p.ParameterType, p.Name!, salt))]);
        foreach (var property in Properties(type).Where(p => p.CanWrite && !constructor.GetParameters().Any(q => q.Name == p.Name)))
            property.SetValue(made, Value(property.PropertyType, property.Name, salt));
        return made;
    }

    private static IEnumerable<PropertyInfo> Properties(Type type) =>
        type.GetProperties(BindingFlags.Public | BindingFlags.Instance).Where(p => p.GetIndexParameters().Length == 0);
}
